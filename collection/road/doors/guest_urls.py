"""The addresses that a link to a count opens, outside collections."""

from django.urls import path

from collection.road.doors import guest_views

app_name = "doors"
urlpatterns = [
    path("<str:token>/", guest_views.count, name="count"),
    path("<str:token>/tiles/", guest_views.tiles, name="tiles"),
    path("<str:token>/tap/", guest_views.tap, name="tap"),
    path("<str:token>/close/", guest_views.close, name="close"),
]
