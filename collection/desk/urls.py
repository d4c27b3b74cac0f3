"""Addresses of the front pages: tonight, pieces, one piece, search, everything else."""

from django.urls import path

from collection.desk import tonight_views, views

app_name = "desk"
urlpatterns = [
    path("", tonight_views.tonight, name="tonight"),
    path("show/", tonight_views.show_mode, name="show_mode"),
    path("pieces/", views.pieces, name="pieces"),
    path("pieces/<slug:code>/", views.piece, name="piece"),
    path("search/", views.search, name="search"),
    path("more/", views.more, name="more"),
]
