"""Addresses of this capability."""

from django.urls import URLPattern

app_name = "custody"
urlpatterns: list[URLPattern] = []
