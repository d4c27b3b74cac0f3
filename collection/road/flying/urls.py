"""The address of a fly-date pack, under the road."""

from django.urls import path

from collection.road.flying import views

urlpatterns = [path("shows/<slug:show>/flying/", views.flying, name="flying")]
