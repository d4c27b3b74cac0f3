"""Every address of the site: who may enter first, then the collections."""

from django.urls import include, path

from registry.light import choose_light

urlpatterns = [
    path("light/", choose_light, name="light"),
    path("link/calendar/", include("collection.desk.feed_urls")),
    path("link/doors/", include("collection.road.doors.guest_urls")),
    path("link/dossier/", include("collection.papers.checking.urls")),
    path("link/job/", include("collection.bench.jobs.guest_urls")),
    path("link/shared/", include("collection.papers.sharing.guest_urls")),
    path("sw.js", include("collection.desk.offline.worker_urls")),
    path("", include("registry.access.urls")),
    path("<slug:collection>/", include("collection.urls")),
]

handler403 = "registry.access.views.refused"
