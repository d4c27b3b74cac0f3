"""Addresses under `/<collection>/`, one list a capability."""

from django.urls import URLPattern, URLResolver

urlpatterns: list[URLPattern | URLResolver] = []
