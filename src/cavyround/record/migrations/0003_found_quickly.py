"""What pages look up, found by index: who finished a check today, a page of all, open questions."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('record', '0002_weights'),
    ]

    operations = [
        migrations.AddIndex(
            model_name='animal',
            index=models.Index(fields=['name', 'id', 'left_on'], name='record_anim_name_d0bdca_idx'),
        ),
        migrations.AddIndex(
            model_name='check',
            index=models.Index(condition=models.Q(('finished_at__isnull', False)), fields=['finished_at'], name='check_finished_at'),
        ),
        migrations.AddIndex(
            model_name='vetanswer',
            index=models.Index(fields=['-made_at'], name='record_veta_made_at_84492b_idx'),
        ),
        migrations.AddIndex(
            model_name='vetquestion',
            index=models.Index(fields=['made_at', 'id'], name='record_vetq_made_at_6d4b5d_idx'),
        ),
    ]
