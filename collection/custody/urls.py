"""Addresses of places, people, moves, thefts and recoveries."""

from django.urls import include, path

from collection.custody.filed.views import paper
from collection.custody.views import parties, places, puts, recoveries, thefts

app_name = "custody"
urlpatterns = [
    path("", include("collection.custody.cases.urls")),
    path("", include("collection.custody.map.urls")),
    path("", include("collection.custody.loans.urls")),
    path("", include("collection.custody.freight.urls")),
    path("", include("collection.custody.stocktake.urls")),
    path("", places.places, name="places"),
    path("add/", places.add_place, name="add_place"),
    path("towns/", places.towns, name="towns"),
    path("people/", parties.parties, name="parties"),
    path("people/add/", parties.add_party, name="add_party"),
    path("people/<slug:party>/", parties.party, name="party"),
    path("people/<slug:party>/edit/", parties.edit_party, name="edit_party"),
    path("find/", puts.find_place, name="find_place"),
    path("of/<slug:code>/move/", puts.move, name="move"),
    path("of/<slug:code>/sight/", puts.sight, name="sight"),
    path("of/<slug:code>/not-found/", puts.not_found, name="not_found"),
    path("of/<slug:code>/recovered/", recoveries.recover, name="recover"),
    path("of/<slug:code>/gates/", recoveries.gates, name="gates"),
    path("of/<slug:code>/gates/<slug:gate>/", recoveries.clear, name="clear"),
    path("of/<slug:code>/released/", recoveries.released, name="released"),
    path("of/<slug:code>/title/", recoveries.title_settled, name="title_settled"),
    path("filed/<int:paper>/", paper, name="filed_paper"),
    path("theft/", thefts.start, name="theft_start"),
    path("incidents/", thefts.incidents, name="incidents"),
    path("incidents/<slug:incident>/", thefts.now, name="incident"),
    path("incidents/<slug:incident>/tick/", thefts.tick, name="tick"),
    path("incidents/<slug:incident>/sheets/", thefts.sheets, name="sheets"),
    path("incidents/<slug:incident>/gates/", recoveries.incident_gates, name="incident_gates"),
    path("<slug:place>/", places.place, name="place"),
    path("<slug:place>/edit/", places.edit_place, name="edit_place"),
]
