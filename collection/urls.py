"""Addresses under `/<collection>/`, one list a capability."""

from django.urls import include, path

urlpatterns = [
    path("book/", include("collection.ledger.urls")),
    path("pieces/", include("collection.catalogue.urls")),
    path("places/", include("collection.custody.urls")),
    path("import/", include("collection.custody.importing.urls")),
    path("stock/", include("collection.stock.urls")),
    path("sockets/", include("collection.stock.sockets.urls")),
    path("bench/", include("collection.bench.urls")),
    path("road/", include("collection.road.urls")),
    path("papers/", include("collection.papers.urls")),
    # Last: a code is written in capitals, so `pieces/<code>/` hides no page named in small letters
    # only as long as those come first.
    path("", include("collection.desk.urls")),
]
