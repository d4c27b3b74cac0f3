"""The address of the service worker, at the root of the site."""

from django.urls import path

from collection.desk.offline import views

app_name = "offline"
urlpatterns = [path("", views.script, name="worker")]
