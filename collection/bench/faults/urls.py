"""Addresses of faults, below the bench."""

from django.urls import path

from collection.bench.faults import views

urlpatterns = [
    path("", views.faults, name="faults"),
    path("<slug:fault>/", views.fault, name="fault"),
    path("<slug:fault>/proven-after/", views.proven_after, name="fault_proven_after"),
    path("<slug:fault>/press/<slug:press>/", views.press, name="fault_press"),
]
