"""Addresses under `/<collection>/`, one list a capability."""

from django.urls import include, path

urlpatterns = [
    path("", include("collection.desk.urls")),
    path("book/", include("collection.ledger.urls")),
    path("pieces/", include("collection.catalogue.urls")),
    path("places/", include("collection.custody.urls")),
    path("stock/", include("collection.stock.urls")),
    path("bench/", include("collection.bench.urls")),
    path("road/", include("collection.road.urls")),
    path("papers/", include("collection.papers.urls")),
]
