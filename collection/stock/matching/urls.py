"""Addresses of matching, under the stock."""

from django.urls import path

from collection.stock.matching import views

urlpatterns = [
    path("", views.matching, name="matching"),
    path("slip/<slug:lot>/", views.slip, name="slip"),
    path("group/<slug:tube>/", views.group, name="group"),
    path("labels/", views.labels, name="labels"),
    path("apart/<slug:part>/", views.apart, name="apart"),
    path("tolerances/", views.tolerances, name="tolerances"),
]
