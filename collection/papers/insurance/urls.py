"""Addresses of insurance, under the papers."""

from django.urls import path

from collection.papers.insurance import views

urlpatterns = [
    path("", views.insurance, name="insurance"),
    path("policies/add/", views.add_policy, name="add_policy"),
    path("policies/<slug:policy>/", views.policy, name="policy"),
    path("policies/<slug:policy>/change/", views.change_policy, name="change_policy"),
    path("policies/<slug:policy>/pieces/", views.choose_insured, name="choose_insured"),
    path("policies/<slug:policy>/schedule/", views.schedule, name="schedule"),
    path("nights/", views.nights, name="nights"),
    path("nights/write/", views.write_night, name="write_night"),
    path("pieces/<slug:code>/", views.values, name="values"),
    path("pieces/<slug:code>/value/", views.value, name="value"),
    path("tours/<slug:tour>/", views.tour_cover, name="tour_cover"),
]
