"""Addresses of readings, under the bench."""

from django.urls import path

from collection.bench.readings import views

urlpatterns = [
    path("", views.readings_all, name="readings_all"),
    path("<slug:code>/", views.readings, name="readings"),
    path("<slug:code>/add/", views.measure, name="measure"),
]
