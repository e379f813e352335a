"""The main job: a plan becomes marks on one closing line, shared by both laps. Start with `placement`."""
