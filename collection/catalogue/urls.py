"""Addresses of this capability; `pieces/<code>/` itself is the desk's."""

from django.urls import path

from collection.catalogue.views import drawn, photo_removal, photos, pieces

app_name = "catalogue"
urlpatterns = [
    path("add/", pieces.add_piece, name="add_piece"),
    path("read-year/", pieces.read_year, name="read_year"),
    path("designs/", drawn.designs, name="designs"),
    path("designs/add/", drawn.add_design, name="add_design"),
    path("designs/<int:design>/", drawn.edit_design, name="edit_design"),
    path("makers/add/", drawn.add_maker, name="add_maker"),
    path("makers/<int:maker>/", drawn.edit_maker, name="edit_maker"),
    path("circuits/", drawn.circuits, name="circuits"),
    path("circuits/add/", drawn.add_circuit, name="add_circuit"),
    path("circuits/<int:circuit>/", drawn.edit_circuit, name="edit_circuit"),
    path("photos/<int:photo>/original/", photos.photo_original, name="photo_original"),
    path("photos/<int:photo>/take-out/", photo_removal.take_out, name="take_out_photo"),
    path("photos/<int:photo>/<slug:size>/", photos.photo, name="photo"),
    path("<slug:code>/edit/", pieces.edit_piece, name="edit_piece"),
    path("<slug:code>/photos/", photos.photos, name="photos"),
    path("<slug:code>/photos/add/", photos.add_photo, name="add_photo"),
]
