"""The writers: shapes and pages as SVG, PDF, DXF and PNG."""
