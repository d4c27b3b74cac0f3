"""Addresses of the papers."""

from django.urls import include, path

from collection.papers import views
from collection.papers.portable.views import carry_out

app_name = "papers"
urlpatterns = [
    path("borders/", include("collection.papers.borders.urls")),
    path("permits/", include("collection.papers.permits.urls")),
    path("insurance/", include("collection.papers.insurance.urls")),
    path("seals/", include("collection.papers.seals.urls")),
    path("carry-out/", carry_out, name="carry_out"),
    path("labels/", include("collection.papers.labels.urls")),
    path("", include("collection.papers.dossier.urls")),
    path("object-id/", include("collection.papers.object_id.urls")),
    path("hand-over/", include("collection.papers.handing_over.urls")),
    path("linked/", include("collection.papers.linked.urls")),
    path("", include("collection.papers.sharing.urls")),
    path("theft/", include("collection.papers.theft.urls")),
    path("notice/<slug:incident>/", views.notice, name="notice"),
    path("officer/<slug:incident>/", views.officer, name="officer"),
]
