"""Addresses of permits, under the papers."""

from django.urls import path

from collection.papers.permits import views

urlpatterns = [
    path("", views.permits, name="permits"),
    path("species/", views.species, name="species"),
    path("rules/", views.rules, name="permit_rules"),
    path("add/", views.add_certificate, name="add_certificate"),
    path("trip/<slug:tour>/", views.trip, name="trip"),
    path("pieces/<slug:code>/", views.materials, name="materials"),
    path("pieces/<slug:code>/abroad/", views.abroad, name="abroad"),
    path("materials/<int:material>/strike/", views.strike_material, name="strike_material"),
    path("certificates/<slug:certificate>/", views.certificate, name="certificate"),
    path("certificates/<slug:certificate>/species/", views.add_species, name="add_species"),
    path("certificates/<slug:certificate>/stamp/", views.stamp, name="stamp_certificate"),
]
