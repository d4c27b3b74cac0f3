"""Addresses of loans, within those of places."""

from django.urls import path

from collection.custody.loans import views

urlpatterns = [
    path("loans/", views.loans, name="loans"),
    path("loans/lend/", views.lend, name="lend"),
    path("loans/take-in/", views.take_in, name="take_in"),
    path("loans/<slug:loan>/", views.loan, name="loan"),
    path("loans/<slug:loan>/sheet/", views.sheet, name="loan_sheet"),
    path("loans/<slug:loan>/back/", views.back, name="loan_back"),
    path("loans/<slug:loan>/longer/", views.longer, name="loan_longer"),
    path("loans/<slug:loan>/signed/", views.signed, name="loan_signed"),
    path("loans/<slug:loan>/photo/", views.photograph, name="loan_photo"),
]
