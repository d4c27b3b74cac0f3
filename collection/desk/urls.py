"""Addresses of the front pages: tonight, pieces, one piece, search, everything else."""

from django.urls import include, path

from collection.desk import away_views, due_views, read_only_views, tonight_views, views
from collection.desk.as_of.views import as_of
from collection.desk.checklists.views import checklist
from collection.desk.erasure.views import erase
from collection.desk.lists.views import list_as_csv, lists
from collection.desk.monthly.views import end_monthly, monthly
from collection.desk.packing.views import packing
from collection.desk.post.views import letters

app_name = "desk"
urlpatterns = [
    path("", tonight_views.tonight, name="tonight"),
    path("show/", tonight_views.show_mode, name="show_mode"),
    path("pieces/", views.pieces, name="pieces"),
    path("pieces/<slug:code>/", views.piece, name="piece"),
    path("artist/", read_only_views.artist, name="artist"),
    path("production/<slug:tour>/", read_only_views.production, name="production"),
    path("due/", due_views.due, name="due"),
    path("calendar/", due_views.calendar, name="calendar"),
    path("calendar/<int:share>/end/", due_views.end_calendar, name="end_calendar"),
    path("away/", away_views.away, name="away"),
    path("letters/", letters, name="letters"),
    path("monthly/", monthly, name="monthly"),
    path("monthly/<slug:party>/end/", end_monthly, name="end_monthly"),
    path("erase/<slug:party>/", erase, name="erase_party"),
    path("as-of/", as_of, name="as_of"),
    path("lists/", lists, name="lists"),
    path("lists/<slug:list>/", list_as_csv, name="list_as_csv"),
    path("packing/<slug:tour>/", packing, name="packing"),
    path("reports/", include("collection.desk.reports.urls")),
    path("", include("collection.desk.handover.urls")),
    path("checklist/<slug:tour>/<slug:which>/", checklist, name="checklist"),
    path("search/", views.search, name="search"),
    path("more/", views.more, name="more"),
    path("", include("collection.desk.offline.urls")),
]
