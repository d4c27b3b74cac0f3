"""The address of a member's calendar, outside collections."""

from django.urls import path

from collection.desk import due_views

app_name = "calendar"
urlpatterns = [path("<str:token>/gear.ics", due_views.calendar_feed, name="feed")]
