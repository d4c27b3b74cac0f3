"""Addresses of what waits on a phone and what is kept there."""

from django.urls import path

from collection.desk.offline import views

urlpatterns = [
    path("waiting/", views.waiting, name="waiting"),
    path("waiting/kept/", views.kept, name="kept"),
    path("waiting/ready/", views.ready, name="ready"),
]
