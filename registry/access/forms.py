"""What is asked of people at the door."""

from django import forms
from django.contrib.auth.forms import AuthenticationForm

from registry.access.models import Collection, Membership, Person, code_form
from registry.access.roles import Role


class SignInForm(AuthenticationForm):
    """Sign-in name in any case, and password."""

    nothing_to_save = True  # what stands over a refusal

    error_messages = {
        "invalid_login": "No sign-in name and password like these. The password minds capitals.",
        "inactive": "This person can no longer sign in.",
    }

    def clean_username(self) -> str:
        return self.cleaned_data["username"].strip().lower()


class InviteForm(forms.Form):
    """Who comes in, and what they may do."""

    name = forms.CharField(max_length=80, label="Name")
    username = forms.CharField(
        max_length=32,
        label="Sign-in name",
        help_text="Small letters, such as ines; the book will know them by it for ever.",
    )
    role = forms.ChoiceField(choices=Role.choices, label="Role", initial=Role.TECHNICIAN)

    def __init__(self, *args: object, collection: Collection, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        self.collection = collection

    def clean_username(self) -> str:
        username = self.cleaned_data["username"].strip().lower()
        code_form(username)
        taken = Membership.objects.of(self.collection)
        person = Person.objects.filter(username=username).first()
        if taken.filter(code=username).exists() or taken.filter(person=person).exists():
            raise forms.ValidationError(
                "Somebody here has this name already, now or earlier; choose another, "
                "or take them back below."
            )
        return username


class RoleForm(forms.Form):
    """Another role for a member."""

    role = forms.ChoiceField(choices=Role.choices, label="Role")
