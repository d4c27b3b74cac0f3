"""Addresses of the bench: recording, one page a kind, and proposed tags."""

from django.urls import include, path

from collection.bench import views
from collection.bench.arrivals import views as arrivals
from collection.bench.hours import views as hours
from collection.bench.originality.urls import urlpatterns as originality
from collection.bench.sheets.urls import urlpatterns as sheets

app_name = "bench"
urlpatterns = [
    path("hours/<slug:code>/", hours.hours, name="hours"),
    path("record/", views.record_start, name="record_start"),
    path("record/<slug:code>/", views.record, name="record"),
    path("record/<slug:code>/<slug:kind>/", views.record_kind, name="record_kind"),
    path("proposed-tags/", views.proposed_tags, name="proposed_tags"),
    path("arrivals/<slug:shipment>/", arrivals.arrival, name="arrival"),
    path("jobs/", include("collection.bench.jobs.urls")),
    path("faults/", include("collection.bench.faults.urls")),
    path("plans/", include("collection.bench.due.urls")),
    path("readings/", include("collection.bench.readings.urls")),
    path("safety/", include("collection.bench.safety.urls")),
    *originality,
    *sheets,
]
