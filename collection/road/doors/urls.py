"""Addresses of a load-out."""

from django.urls import path

from collection.road.doors import views

urlpatterns = [
    path("walk/", views.walk_list, name="walk_list"),
    path("shows/<slug:show>/walk/", views.walk, name="walk"),
    path("shows/<slug:show>/doors/", views.doors, name="doors"),
    path("shows/<slug:show>/doors/<int:number>/", views.count, name="door_count"),
    path("shows/<slug:show>/doors/<int:number>/tiles/", views.tiles, name="door_tiles"),
    path("shows/<slug:show>/doors/<int:number>/tap/", views.tap, name="door_tap"),
    path("shows/<slug:show>/doors/<int:number>/close/", views.close, name="door_close"),
    path("shows/<slug:show>/doors/<int:number>/share/", views.share, name="door_share"),
    path(
        "shows/<slug:show>/doors/<int:number>/share/<int:share>/end/",
        views.unshare,
        name="door_unshare",
    ),
]
