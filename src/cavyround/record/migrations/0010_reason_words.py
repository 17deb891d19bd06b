"""A reason that was set aside is kept as it then read."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('record', '0009_days_off'),
    ]

    operations = [
        migrations.AddField(
            model_name='reasonsetaside',
            name='words',
            field=models.CharField(blank=True, max_length=400),
        ),
    ]
