"""A reason set aside on a vet's word says how that word came, and when."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("record", "0011_living_found_quickly"),
    ]

    operations = [
        migrations.AddField(
            model_name="reasonsetaside",
            name="word",
            field=models.CharField(
                blank=True,
                choices=[
                    ("written", "In writing"),
                    ("label", "On the label of what the vet handed out"),
                    ("telephone", "By telephone"),
                    ("spoken", "Spoken, on the spot"),
                    ("self", "The vet enters it"),
                ],
                max_length=9,
            ),
        ),
        migrations.AddField(
            model_name="reasonsetaside",
            name="said_on",
            field=models.DateField(blank=True, null=True),
        ),
    ]
