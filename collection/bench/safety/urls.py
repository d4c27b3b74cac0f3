"""Addresses of mains safety, under the bench; a test itself is recorded like any other kind."""

from django.urls import path

from collection.bench.safety import views

urlpatterns = [path("", views.safety, name="safety")]
