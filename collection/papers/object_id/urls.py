"""Address of the Object ID sheet, under the papers."""

from django.urls import path

from collection.papers.object_id import views

urlpatterns = [path("<slug:code>/", views.sheet, name="object_id")]
