"""Addresses of freight, within those of places."""

from django.urls import path

from collection.custody.freight import views

urlpatterns = [
    path("freight/", views.shipments, name="shipments"),
    path("freight/send/", views.ship, name="ship"),
    path("freight/<slug:shipment>/", views.shipment, name="shipment"),
    path("freight/<slug:shipment>/expected/", views.expect, name="expect"),
]
