"""The address of the map."""

from django.urls import path

from collection.custody.map import views

urlpatterns = [path("map/", views.everything, name="map")]
