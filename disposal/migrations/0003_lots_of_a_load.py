from django.db import migrations


class Migration(migrations.Migration):
    """No table changes: kept loads are folded afresh, since an item now has room for how many a lot is."""

    dependencies = [("disposal", "0002_drums_and_loads")]

    operations = []
