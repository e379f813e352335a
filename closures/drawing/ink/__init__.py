"""What drawings are made of: shapes in mm, lettering as outlines, and the room that they take."""
