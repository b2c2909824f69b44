"""What many assessments of one plan or of several tell: sensitivity, climate, plans side by side."""
