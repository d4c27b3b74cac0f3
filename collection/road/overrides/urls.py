"""Addresses of one night's changes and of the stage picture, under the road."""

from django.urls import path

from collection.road.overrides import views

urlpatterns = [
    path("shows/<slug:show>/stage/", views.stage, name="stage"),
    path("shows/<slug:show>/position/<int:position>/", views.tonight, name="tonight"),
    path(
        "shows/<slug:show>/position/<int:position>/as-planned/",
        views.as_planned,
        name="as_planned",
    ),
]
