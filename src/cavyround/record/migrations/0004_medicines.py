"""Orders, courses, doses, what was noted and set aside, and the shelf."""

import cavyround.record.models.entries
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('record', '0003_found_quickly'),
    ]

    operations = [
        migrations.CreateModel(
            name='Lot',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('number', models.CharField(blank=True, max_length=40)),
                ('expires_on', models.DateField(blank=True, null=True)),
                ('opened_on', models.DateField(blank=True, null=True)),
                ('strength', models.CharField(blank=True, max_length=60)),
                ('gone_on', models.DateField(blank=True, null=True)),
            ],
            options={
                'ordering': ('expires_on', 'id'),
            },
        ),
        migrations.CreateModel(
            name='Product',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('name', models.CharField(max_length=80)),
                ('kind', models.CharField(choices=[('medicine', 'Medicine'), ('care', 'Care that is no medicine'), ('supply', 'Supply for checks and care'), ('feed', 'Feed')], default='medicine', max_length=8)),
                ('drug', models.CharField(blank=True, max_length=80)),
                ('strength', models.CharField(blank=True, max_length=60)),
                ('contains', models.JSONField(default=list)),
                ('counted_as', models.CharField(blank=True, max_length=60)),
                ('drop', models.CharField(blank=True, max_length=60)),
                ('g_per_ml', models.DecimalField(blank=True, decimal_places=4, max_digits=6, null=True)),
                ('unit', models.CharField(default='mL', max_length=8)),
                ('use_within_days', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('controlled', models.BooleanField(default=False)),
                ('low_at', models.DecimalField(blank=True, decimal_places=3, max_digits=12, null=True)),
                ('keep', models.CharField(blank=True, max_length=120)),
                ('syringe', models.CharField(blank=True, max_length=24)),
                ('holds_ml', models.DecimalField(blank=True, decimal_places=3, max_digits=6, null=True)),
                ('mark_ml', models.DecimalField(blank=True, decimal_places=3, max_digits=6, null=True)),
            ],
            options={
                'ordering': ('name', 'strength', 'id'),
            },
        ),
        migrations.CreateModel(
            name='Allergy',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('name', models.CharField(max_length=80)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('animal', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='allergies', to='record.animal')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='AllergyEnded',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('why', models.CharField(max_length=200)),
                ('allergy', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='ends', to='record.allergy')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Course',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('first_on', models.DateField(blank=True, null=True)),
                ('first_at', models.DateTimeField(blank=True, null=True)),
                ('animal', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='courses', to='record.animal')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='CourseLook',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('at', models.DateTimeField()),
                ('clear', models.BooleanField(null=True)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('course', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='looks', to='record.course')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='CourseStopped',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('why', models.CharField(max_length=200)),
                ('course', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='stops', to='record.course')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='DoseEntry',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('number', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('at', models.DateTimeField()),
                ('outcome', models.CharField(choices=[('given', 'Given'), ('partly', 'Partly taken'), ('refused', 'Refused, nothing went in'), ('spat_out', 'Spat out, perhaps some went in'), ('not_given', 'Not given')], max_length=9)),
                ('why', models.CharField(blank=True, max_length=200)),
                ('weight_g', models.DecimalField(blank=True, decimal_places=1, max_digits=7, null=True)),
                ('weighed_at', models.DateTimeField(blank=True, null=True)),
                ('amount', models.DecimalField(blank=True, decimal_places=6, max_digits=12, null=True)),
                ('unit', models.CharField(blank=True, max_length=8)),
                ('syringe', models.CharField(blank=True, max_length=40)),
                ('second_said', models.CharField(blank=True, max_length=60)),
                ('worked', models.JSONField(default=dict)),
                ('course', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='doses', to='record.course')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('second', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('lot', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='doses', to='record.lot')),
            ],
            options={
                'ordering': ('at', 'id'),
            },
        ),
        migrations.CreateModel(
            name='DoseCorrection',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('why', models.CharField(max_length=200)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('corrects', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='corrections', to='record.doseentry')),
                ('replacement', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaces', to='record.doseentry')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Order',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('drug', models.CharField(blank=True, max_length=80)),
                ('care', models.CharField(blank=True, max_length=24)),
                ('vet', models.CharField(blank=True, max_length=80)),
                ('word', models.CharField(choices=[('written', 'In writing'), ('label', 'On the label of what the vet handed out'), ('telephone', 'By telephone'), ('spoken', 'Spoken, on the spot'), ('self', 'The vet enters it')], default='written', max_length=9)),
                ('ordered_at', models.DateTimeField()),
                ('why', models.CharField(max_length=200)),
                ('dose', models.CharField(blank=True, max_length=60)),
                ('route', models.CharField(blank=True, max_length=24)),
                ('schedule', models.JSONField()),
                ('standing', models.BooleanField(default=False)),
                ('strength', models.CharField(blank=True, max_length=60)),
                ('counted_as', models.CharField(blank=True, max_length=60)),
                ('diluent', models.CharField(blank=True, max_length=60)),
                ('limits', models.JSONField(default=dict)),
                ('withdrawal_days', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('weight_within_days', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('recheck_days', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('against', models.JSONField(default=list)),
                ('lasts_days', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('kills_eggs', models.BooleanField(blank=True, null=True)),
                ('second_check', models.BooleanField(default=False)),
                ('note', models.TextField(blank=True)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('replaces', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='record.order')),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('product', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='orders', to='record.product')),
            ],
            options={
                'ordering': ('-ordered_at', '-id'),
            },
        ),
        migrations.AddField(
            model_name='course',
            name='order',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='courses', to='record.order'),
        ),
        migrations.CreateModel(
            name='OrderStopped',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('why', models.CharField(max_length=200)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('order', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='stops', to='record.order')),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.AddField(
            model_name='lot',
            name='product',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='lots', to='record.product'),
        ),
        migrations.CreateModel(
            name='ReasonSetAside',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('key', models.CharField(max_length=120)),
                ('by_name', models.CharField(max_length=80)),
                ('role', models.CharField(choices=[('vet', 'Vet'), ('carer', 'Carer')], max_length=5)),
                ('why', models.CharField(blank=True, max_length=200)),
                ('animal', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='set_aside', to='record.animal')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('order', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='set_aside', to='record.order')),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='SetAsideEnded',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('why', models.CharField(max_length=200)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('set_aside', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='ends', to='record.reasonsetaside')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='ShelfStatement',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('fields', models.JSONField()),
                ('why', models.CharField(blank=True, max_length=200)),
                ('lot', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='statements', to='record.lot')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('product', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='statements', to='record.product')),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='StandingDeclined',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('why', models.CharField(max_length=200)),
                ('animal', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='declined_orders', to='record.animal')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('order', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='declined', to='record.order')),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='StockMovement',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('kind', models.CharField(choices=[('came', 'Came in'), ('used', 'Used'), ('thrown_away', 'Thrown away'), ('counted', 'Counted')], max_length=11)),
                ('at', models.DateTimeField()),
                ('amount', models.DecimalField(decimal_places=6, max_digits=12)),
                ('why', models.CharField(blank=True, max_length=200)),
                ('lot', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='movements', to='record.lot')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('second', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ('at', 'id'),
            },
        ),
        migrations.CreateModel(
            name='DoseAnswer',
            fields=[
                ('id', models.UUIDField(default=cavyround.record.models.entries.new_id, editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('received_at', models.DateTimeField(auto_now_add=True)),
                ('question', models.CharField(max_length=40)),
                ('answer', models.CharField(max_length=120)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('at', models.DateTimeField()),
                ('course', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='answers', to='record.course')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sent_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('dose', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='answers', to='record.doseentry')),
            ],
            options={
                'ordering': ('at', 'id'),
                'indexes': [models.Index(fields=['course', 'at'], name='record_dose_course__c46933_idx')],
            },
        ),
        migrations.AddIndex(
            model_name='doseentry',
            index=models.Index(fields=['course', 'at'], name='record_dose_course__4c482b_idx'),
        ),
        migrations.AddConstraint(
            model_name='course',
            constraint=models.UniqueConstraint(fields=('order', 'animal'), name='one_course_of_an_order'),
        ),
        migrations.AddConstraint(
            model_name='course',
            constraint=models.CheckConstraint(condition=models.Q(('first_on__isnull', True), ('first_at__isnull', True), _connector='XOR'), name='a_course_begins_once'),
        ),
        migrations.AddIndex(
            model_name='stockmovement',
            index=models.Index(fields=['lot', 'at'], name='record_stoc_lot_id_7db8d5_idx'),
        ),
    ]
