"""Addresses of an import: a file, its columns, a preview, what came of it."""

from django.urls import path

from collection.custody.importing import views

app_name = "importing"
urlpatterns = [
    path("", views.start, name="start"),
    path("<int:run>/columns/", views.columns, name="columns"),
    path("<int:run>/", views.preview, name="preview"),
    path("<int:run>/discard/", views.discard, name="discard"),
    path("<int:run>/done/", views.done, name="done"),
    path("<int:run>/refused/", views.refused, name="refused"),
]
