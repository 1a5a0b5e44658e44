"""Signing in by name and password."""

from typing import Any

from django.contrib.auth.forms import AuthenticationForm


class SignInForm(AuthenticationForm):
    """Django's own form, in our words."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Name to sign in by"
        self.error_messages = {
            **self.error_messages,
            "invalid_login": "Name and password do not go together; try again, or use a link.",
        }
