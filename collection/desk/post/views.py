"""The page of letters: where they go, and what was written."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from collection.desk.post import queries
from collection.desk.post.forms import AddressForm
from registry.access.actions import set_email


@require_http_methods(["GET", "HEAD", "POST"])
def letters(request: HttpRequest) -> HttpResponse:
    """Letters to the member who is signed in, and the address they go to."""
    form = AddressForm(request.POST or None, initial={"email": request.user.email})
    if request.method == "POST" and form.is_valid():
        set_email(request.user, email=form.cleaned_data["email"])
        messages.success(request, "Stored: where your letters go.")
        return redirect("desk:letters", request.collection.slug)
    found = queries.letters_to(request.collection, request.membership)
    context = {"form": form, "letters": found}
    return render(request, "desk/letters.html", context, status=422 if form.errors else 200)
