"""Addresses of the wanted list, under the road."""

from django.urls import path

from collection.road.wanted import views

urlpatterns = [
    path("wanted/", views.wanted, name="wanted"),
    path("wanted/<slug:item>/close/", views.close, name="close_wanted"),
]
