"""Addresses of stocktakes, under the places."""

from django.urls import path

from collection.custody.stocktake import views

urlpatterns = [
    path("stocktakes/", views.stocktakes, name="stocktakes"),
    path("stocktakes/<slug:count>/", views.stocktake, name="stocktake"),
    path("stocktakes/<slug:count>/mark/", views.mark, name="count_mark"),
    path("stocktakes/<slug:count>/unlabelled/", views.unlabelled, name="count_unlabelled"),
    path("stocktakes/<slug:count>/unmark/<int:mark>/", views.unmark, name="count_unmark"),
    path("stocktakes/<slug:count>/picture/", views.picture, name="count_picture"),
    path("stocktakes/<slug:count>/done/", views.done, name="count_done"),
    path("stocktakes/<slug:count>/close/", views.close, name="count_close"),
    path("stocktakes/<slug:count>/give-up/", views.give_up, name="count_give_up"),
    path("stocktakes/<slug:count>/sign/photos/", views.sign_photos, name="count_sign_photos"),
    path("stocktakes/<slug:count>/sign/recount/", views.sign_recount, name="count_sign_recount"),
    path("<slug:place>/count/", views.start, name="count_start"),
    path("<slug:place>/sheet/", views.sheet, name="count_sheet"),
]
