"""Files as they come: workbooks, text, Parquet, packed or not, read into cells within bounds."""
