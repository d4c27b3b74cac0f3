"""Addresses of the door, and of the people of a collection."""

from django.contrib.auth.views import LogoutView
from django.urls import path

from registry.access import views
from registry.access.gate import outside_collections

app_name = "access"

urlpatterns = [
    path("", views.collections, name="collections"),
    path("sign-in/", views.sign_in, name="sign_in"),
    path("sign-out/", outside_collections(LogoutView.as_view()), name="sign_out"),
    path("link/<str:token>/", views.one_time_link, name="link"),
    path("password/", views.password, name="password"),
    path("<slug:collection>/people/", views.people, name="people"),
    path("<slug:collection>/people/<slug:member>/role/", views.role, name="role"),
    path("<slug:collection>/people/<slug:member>/link/", views.renew, name="renew"),
    path("<slug:collection>/people/<slug:member>/end/", views.end, name="end"),
    path("<slug:collection>/people/<slug:member>/resume/", views.resume, name="resume"),
]
