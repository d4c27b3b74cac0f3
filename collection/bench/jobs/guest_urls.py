"""The address that a share link opens, outside collections."""

from django.urls import path

from collection.bench.jobs import guest_views

app_name = "guest"
urlpatterns = [path("<str:token>/", guest_views.job, name="job")]
