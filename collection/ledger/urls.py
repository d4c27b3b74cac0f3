"""Addresses of the book."""

from django.urls import path

from collection.ledger import views
from collection.ledger.redaction.views import take_out

app_name = "ledger"
urlpatterns = [
    path("", views.book, name="book"),
    path("read-date/", views.read_date, name="read_date"),
    path("check/", views.check, name="check"),
    path("questions/", views.questions, name="questions"),
    path("questions/ask/", views.ask, name="ask"),
    path("questions/<slug:question>/", views.answer, name="answer"),
    path("<int:entry>/", views.entry, name="entry"),
    path("<int:entry>/correct/", views.correct, name="correct"),
    path("<int:entry>/withdraw/", views.withdraw, name="withdraw"),
    path("<int:entry>/take-out/", take_out, name="take_out"),
    path("<int:entry>/another/", views.rewrite, name="rewrite"),
]
