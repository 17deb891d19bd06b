"""Days on which nobody is there."""

import cavyround.record.models.entries
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('record', '0008_orders_in_order'),
    ]

    operations = [
        migrations.CreateModel(
            name='DayOff',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('day', models.DateField()),
                ('why', models.CharField(blank=True, max_length=120)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ('day', 'id'),
            },
        ),
        migrations.CreateModel(
            name='DayOffTakenBack',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('day_off', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='taken_back', to='record.dayoff')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.AddIndex(
            model_name='dayoff',
            index=models.Index(fields=['day'], name='record_dayo_day_8a1524_idx'),
        ),
    ]
