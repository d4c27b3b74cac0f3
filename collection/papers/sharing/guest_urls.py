"""What a link to a paper opens, outside collections."""

from django.urls import path

from collection.papers.sharing import guest_views

app_name = "shared"
urlpatterns = [
    path("<str:token>/", guest_views.page, name="page"),
    path("<str:token>/paper/", guest_views.paper, name="paper"),
    path("<str:token>/photo/<int:nth>/", guest_views.photo, name="photo"),
]
