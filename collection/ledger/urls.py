"""Addresses of the book."""

from django.urls import path

from collection.ledger import views

app_name = "ledger"
urlpatterns = [
    path("read-date/", views.read_date, name="read_date"),
]
