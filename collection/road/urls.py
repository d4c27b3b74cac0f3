"""Addresses of this capability."""

from django.urls import URLPattern

app_name = "road"
urlpatterns: list[URLPattern] = []
