"""Addresses of jobs, below the bench."""

from django.urls import path

from collection.bench.jobs import views

urlpatterns = [
    path("", views.jobs, name="jobs"),
    path("send/", views.send, name="job_send"),
    path("<slug:job>/", views.job, name="job"),
    path("<slug:job>/share/", views.share, name="job_share"),
    path("<slug:job>/share/<int:share>/end/", views.unshare, name="job_unshare"),
    path("<slug:job>/<slug:act>/", views.act, name="job_act"),
]
