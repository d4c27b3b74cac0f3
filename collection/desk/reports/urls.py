"""Addresses of reports, within those of the desk."""

from django.urls import path

from collection.desk.reports import views

urlpatterns = [
    path("tour/<slug:tour>/", views.reports, name="reports"),
    path("<slug:show>/", views.report, name="report"),
    path("<slug:show>/paper/", views.report_paper, name="report_paper"),
    path("<slug:show>/hall/", views.report_hall, name="report_hall"),
    path("<slug:show>/send/", views.report_send, name="report_send"),
]
