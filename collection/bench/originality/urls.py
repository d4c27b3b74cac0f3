"""Addresses on originality and date, under the bench."""

from django.urls import path

from collection.bench.originality import views

urlpatterns = [
    path("originality/", views.across, name="originality_across"),
    path("originality/<slug:code>/", views.originality, name="originality"),
    path("originality/<slug:code>/check/", views.check, name="originality_check"),
    path("originality/<slug:code>/reading/", views.reading, name="originality_reading"),
    path("originality/<slug:code>/document/", views.add_document, name="originality_document"),
]
