"""Addresses of labels, under the papers."""

from django.urls import path

from collection.papers.labels import views

urlpatterns = [
    path("", views.labels, name="labels"),
    path("sheet.pdf", views.sheet, name="labels_sheet"),
    path("contact/", views.contact, name="labels_contact"),
]
