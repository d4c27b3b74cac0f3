"""Addresses of the road: tours, rig plans, shows, presses of the evening, backups."""

from django.urls import include, path

from collection.road.views import backups, presses, rig, sessions, shows, tours

app_name = "road"
urlpatterns = [
    path("", include("collection.road.songs.urls")),
    path("", include("collection.road.mains.urls")),
    path("", include("collection.road.overrides.urls")),
    path("", include("collection.road.carnet.urls")),
    path("", include("collection.road.cover.urls")),
    path("", include("collection.road.wanted.urls")),
    path("", include("collection.road.flying.urls")),
    path("", include("collection.road.doors.urls")),
    path("tours/", tours.tours, name="tours"),
    path("tours/add/", tours.add_tour, name="add_tour"),
    path("tours/<slug:tour>/", tours.tour, name="tour"),
    path("tours/<slug:tour>/change/", tours.change_tour, name="change_tour"),
    path("tours/<slug:tour>/add-show/", tours.add_show, name="add_show"),
    path("tours/<slug:tour>/travel/", tours.travel, name="travel"),
    path("tours/<slug:tour>/travel/<slug:code>/home/", tours.stay_home, name="stay_home"),
    path("tours/<slug:tour>/rig/", rig.rig, name="rig"),
    path("tours/<slug:tour>/rig/<int:position>/", rig.position, name="position"),
    path("tours/<slug:tour>/rig/<int:position>/list/", rig.position_list, name="position_list"),
    path("tours/<slug:tour>/rig/<int:position>/beside/", rig.beside, name="beside"),
    path("tours/<slug:tour>/rig/<int:position>/checked/", presses.checked, name="checked"),
    path("shows/<slug:show>/", shows.show, name="show"),
    path("shows/<slug:show>/change/", shows.change_show, name="change_show"),
    path("shows/<slug:show>/log/", shows.log_show, name="log_show"),
    path("shows/<slug:show>/note/", presses.note, name="note"),
    path("shows/<slug:show>/died/<int:position>/", presses.it_died, name="it_died"),
    path("shows/<slug:show>/died/<int:position>/back/", presses.back, name="back"),
    path("sessions/", sessions.sessions, name="sessions"),
    path("sessions/log/", sessions.log, name="log_session"),
    path("died/<int:died>/back/", presses.sound_back, name="sound_back"),
    path("strings/<slug:code>/", presses.strings, name="strings"),
    path("here/<slug:code>/", presses.here, name="here"),
    path("faults/<slug:fault>/again/", presses.did_it_again, name="did_it_again"),
    path("backup/", backups.start, name="backup_start"),
    path("backup/<slug:code>/", backups.backup, name="backup"),
    path("backup/<slug:code>/quote/<slug:of>/", backups.quote, name="quote"),
    path("backup/<slug:code>/choose/<slug:of>/", backups.choose, name="choose"),
    path("outside/", backups.outside, name="outside"),
    path("figures/", backups.planning, name="figures"),
]
