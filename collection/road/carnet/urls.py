"""The address of the carnet rule, under the road."""

from django.urls import path

from collection.road.carnet import views

urlpatterns = [
    path("tours/<slug:tour>/carnet/<slug:code>/", views.carnet_rule, name="carnet_rule"),
]
