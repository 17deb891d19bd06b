"""Stays mended, what was shared and cleaned, quarantines, outbreaks."""

import cavyround.record.models.entries
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('record', '0005_answers_taken_back'),
    ]

    operations = [
        migrations.CreateModel(
            name='MoveCorrected',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('at', models.DateTimeField(blank=True, null=True)),
                ('withdrawn', models.BooleanField(default=False)),
                ('why', models.CharField(max_length=200)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('move', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='corrections', to='record.move')),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Outbreak',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('kind', models.CharField(max_length=24)),
                ('name', models.CharField(max_length=80)),
                ('definition', models.TextField()),
                ('opened_on', models.DateField()),
                ('advice', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='outbreaks', to='record.advicegiven')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='OutbreakCase',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('signs_at', models.DateTimeField()),
                ('sure', models.CharField(choices=[('suspected', 'Suspected'), ('confirmed', 'Confirmed'), ('ruled_out', 'Ruled out')], default='suspected', max_length=10)),
                ('over_at', models.DateTimeField(blank=True, null=True)),
                ('why', models.CharField(max_length=200)),
                ('animal', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='outbreak_cases', to='record.animal')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('outbreak', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='cases', to='record.outbreak')),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='OutbreakClosed',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('on', models.DateField()),
                ('unmet', models.JSONField(default=list)),
                ('why', models.CharField(blank=True, max_length=200)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('outbreak', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='closed', to='record.outbreak')),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='OutbreakSaid',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('code', models.CharField(max_length=24)),
                ('words', models.CharField(max_length=200)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('outbreak', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='said', to='record.outbreak')),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='PenCleaned',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('at', models.DateTimeField()),
                ('how', models.CharField(max_length=200)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('pen', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='cleanings', to='record.pen')),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='QuarantineEnd',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('on', models.DateField()),
                ('missing', models.JSONField(default=list)),
                ('why', models.CharField(blank=True, max_length=200)),
                ('animal', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='quarantine_ends', to='record.animal')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='QuarantineSet',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('began_on', models.DateField()),
                ('days', models.PositiveSmallIntegerField()),
                ('second_look_days', models.PositiveSmallIntegerField()),
                ('last_check_days', models.PositiveSmallIntegerField()),
                ('air_counts', models.BooleanField(default=True)),
                ('suspected', models.CharField(blank=True, max_length=24)),
                ('why', models.CharField(max_length=200)),
                ('animal', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='quarantines', to='record.animal')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='SharedUse',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('kind', models.CharField(choices=[('run', 'Run'), ('things', 'Brush, box, scale, towel'), ('hands', 'Hands of a person')], max_length=8)),
                ('name', models.CharField(max_length=60)),
                ('began_at', models.DateTimeField()),
                ('ended_at', models.DateTimeField(blank=True, null=True)),
                ('animal', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='shared_uses', to='record.animal')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['began_at'], name='record_shar_began_a_21c2d3_idx')],
            },
        ),
    ]
