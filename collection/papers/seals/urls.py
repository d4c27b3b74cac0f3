"""Addresses of seals, under the papers."""

from django.urls import path

from collection.papers.seals import views

urlpatterns = [
    path("", views.seals, name="seals"),
    path("now/", views.seal_book, name="seal_book"),
    path("check/", views.check_seal, name="check_seal"),
    path("<slug:seal>/", views.seal, name="seal"),
    path("<slug:seal>/file/", views.seal_file, name="seal_file"),
    path("<slug:seal>/copy/", views.hand_over, name="hand_over_seal"),
]
