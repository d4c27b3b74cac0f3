"""Addresses of sheets, under the bench."""

from django.urls import path

from collection.bench.sheets import views

urlpatterns = [
    path("sheets/entry/<int:sheet>/", views.sheet, name="sheet"),
    path("sheets/entry/<int:sheet>/again/", views.like_that_night, name="sheet_again"),
    path("sheets/<slug:code>/", views.sheets, name="sheets"),
    path("sheets/<slug:code>/compare/", views.compare, name="sheets_compared"),
    path("sheets/<slug:code>/<slug:sheet>/set-down/", views.set_down, name="set_down"),
]
