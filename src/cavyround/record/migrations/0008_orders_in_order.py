"""The newest orders, and the standing ones, are found without reading all."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('record', '0007_living'),
    ]

    operations = [
        migrations.AddIndex(
            model_name='order',
            index=models.Index(fields=['-ordered_at'], name='record_order_newest'),
        ),
        migrations.AddIndex(
            model_name='order',
            index=models.Index(condition=models.Q(('standing', True)), fields=['ordered_at'], name='standing_orders'),
        ),
    ]
