"""Addresses of service plans, below the bench."""

from django.urls import path

from collection.bench.due import views

urlpatterns = [
    path("", views.plans, name="plans"),
    path("add/", views.add_plan, name="plan_add"),
    path("<int:plan>/", views.plan, name="plan"),
    path("<int:plan>/rest/", views.rest, name="plan_rest"),
    path("<int:plan>/done/<slug:code>/", views.done, name="plan_done"),
    path("<int:plan>/press/<slug:code>/", views.press, name="plan_press"),
]
