"""Addresses of songs and set lists, under the road."""

from django.urls import path

from collection.road.songs import views

urlpatterns = [
    path("songs/", views.songs, name="songs"),
    path("songs/add/", views.add_song, name="add_song"),
    path("songs/<slug:song>/", views.song, name="song"),
    path("tours/<slug:tour>/set-list/", views.tour_set_list, name="tour_set_list"),
    path("shows/<slug:show>/set-list/", views.show_set_list, name="show_set_list"),
    path("shows/<slug:show>/grid/", views.grid, name="grid"),
]
