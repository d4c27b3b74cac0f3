"""Addresses of linked records, under the papers."""

from django.urls import path

from collection.papers.linked import views

urlpatterns = [
    path("<slug:code>/", views.piece, name="linked"),
    path("<slug:code>/provenance/", views.provenance, name="linked_provenance"),
    path("<slug:code>/provenance/<int:entry>/", views.act, name="linked_act"),
]
