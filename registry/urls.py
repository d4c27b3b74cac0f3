"""Every address of the site: who may enter first, then the collections."""

from django.urls import include, path

from registry.light import choose_light

urlpatterns = [
    path("light/", choose_light, name="light"),
    path("", include("registry.access.urls")),
    path("<slug:collection>/", include("collection.urls")),
]

handler403 = "registry.access.views.refused"
