"""Addresses of the mains by country, under the road."""

from django.urls import path

from collection.road.mains import views

urlpatterns = [
    path("mains/", views.table, name="mains"),
    path("mains/<slug:country>/", views.supply, name="supply"),
    path("mains/<slug:country>/table/", views.as_in_the_table, name="supply_as_in_the_table"),
]
