"""Addresses of a theft's file, under the papers."""

from django.urls import path

from collection.papers.theft import compare_views, views

urlpatterns = [
    path("shops/", views.shops, name="shops"),
    path("task/<int:task>/", views.task, name="theft_task"),
    path("task/<int:task>/hand/", views.hand, name="hand_task"),
    path("task/<int:task>/done/", views.finish, name="finish_task"),
    path("compare/<slug:code>/", compare_views.compare, name="compare"),
    path("compare/<slug:code>/found/", compare_views.found_photo, name="found_photo"),
    path("compare/<slug:code>/said/", compare_views.verdict, name="compare_verdict"),
    path("<slug:incident>/tasks/", views.tasks, name="theft_tasks"),
    path("<slug:incident>/tasks/open/", views.open_tasks, name="open_theft_tasks"),
    path("<slug:incident>/tasks/add/", views.add_task, name="add_theft_task"),
    path("<slug:incident>/notice.pdf", views.notice_pdf, name="notice_pdf"),
    path("<slug:incident>/officer.pdf", views.officer_pdf, name="officer_pdf"),
]
