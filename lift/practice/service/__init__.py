"""What comes of a schedule: the plan of the whole service, and its clock."""
