"""The address where a dossier is checked, outside collections."""

from django.urls import path

from collection.papers.checking import views

app_name = "check"
urlpatterns = [path("", views.dossier, name="dossier")]
