"""What the weights say, kept beside the weighings they are read from."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("record", "0001_start")]

    operations = [
        migrations.CreateModel(
            name="WeightSaid",
            fields=[
                (
                    "animal",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="weight_said",
                        serialize=False,
                        to="record.animal",
                    ),
                ),
                ("last_at", models.DateTimeField(null=True)),
                ("said_at", models.DateTimeField()),
                ("level", models.PositiveSmallIntegerField(default=0)),
                ("kind", models.CharField(blank=True, max_length=12)),
                ("score", models.FloatField(default=0)),
                ("weigh_next_at", models.DateTimeField(null=True)),
                ("weigh_why", models.CharField(blank=True, max_length=120)),
                ("said", models.JSONField(default=dict)),
            ],
            options={
                "indexes": [
                    models.Index(fields=["-score"], name="record_weig_score_00c9e1_idx"),
                    models.Index(fields=["weigh_next_at"], name="record_weig_weigh_n_52816c_idx"),
                ],
            },
        ),
        migrations.CreateModel(
            name="HerdTaught",
            fields=[
                ("on", models.DateField(primary_key=True, serialize=False)),
                ("noise_pct", models.FloatField()),
                ("wander_pct", models.FloatField()),
                ("growth_per_day", models.FloatField()),
                ("weighings", models.PositiveIntegerField()),
            ],
            options={"ordering": ("-on",)},
        ),
    ]
