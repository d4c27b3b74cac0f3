"""Addresses of dossiers, under the papers."""

from django.urls import path

from collection.papers.dossier import views

urlpatterns = [
    path("made/", views.made, name="made"),
    path("dossier/<slug:code>/", views.dossier, name="dossier"),
]
