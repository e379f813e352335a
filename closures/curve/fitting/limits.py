"""What points may be out by, and from how many of them that can be told."""

# What a person who traces, digitises or measures an edge is out by, a standard deviation; a plan may say
# otherwise with `read_within`.
READ_WITHIN_MM = 0.15

# From fewer points nothing is known about their noise, and a curve goes through each of them.
LEAST_POINTS = 16

# A stroke that would lie further from the curve that its turns tell, in mm, is a straight of its own: nobody
# who samples a curve leaves so much out.
MOST_SAGITTA_MM = 0.6
