"""Addresses of a tour's backup, under the road."""

from django.urls import path

from collection.road.cover import views

urlpatterns = [
    path("tours/<slug:tour>/backup/", views.cover, name="cover"),
    path("outside/<slug:of>/call/", views.call, name="call"),
]
