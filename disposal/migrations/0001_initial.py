from django.db import migrations


class Migration(migrations.Migration):
    """The starting point: this app has no table yet."""

    initial = True

    dependencies = [("hazmat", "0001_initial")]

    operations = []
