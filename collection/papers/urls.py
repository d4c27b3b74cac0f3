"""Addresses of the papers."""

from django.urls import path

from collection.papers import views

app_name = "papers"
urlpatterns = [
    path("notice/<slug:incident>/", views.notice, name="notice"),
    path("officer/<slug:incident>/", views.officer, name="officer"),
]
