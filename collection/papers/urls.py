"""Addresses of the papers."""

from django.urls import include, path

from collection.papers import views

app_name = "papers"
urlpatterns = [
    path("seals/", include("collection.papers.seals.urls")),
    path("notice/<slug:incident>/", views.notice, name="notice"),
    path("officer/<slug:incident>/", views.officer, name="officer"),
]
