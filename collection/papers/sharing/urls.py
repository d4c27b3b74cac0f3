"""Addresses where links are made and taken back, under the papers."""

from django.urls import path

from collection.papers.sharing import views

urlpatterns = [
    path("links/", views.links, name="links"),
    path("links/<int:share>/end/", views.end, name="end_link"),
    path("share/<slug:code>/", views.share, name="share"),
]
