"""Addresses of parts in positions."""

from django.urls import path

from collection.stock.sockets import views

app_name = "sockets"
urlpatterns = [
    path("<slug:code>/fit/", views.fit, name="fit"),
    path("<slug:code>/read-again/", views.read_again, name="read_again"),
    path("<slug:code>/donor/", views.strip, name="strip"),
    path("part/<slug:part>/out/", views.take_out, name="take_out"),
]
