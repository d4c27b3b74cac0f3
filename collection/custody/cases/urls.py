"""Addresses of cases, before those that end in the code of a place."""

from django.urls import path

from collection.custody.cases import views

urlpatterns = [
    path("cases/", views.cases, name="cases"),
    path("<slug:place>/pack/", views.pack, name="pack"),
    path("<slug:place>/packing-list/", views.packing_list, name="packing_list"),
]
