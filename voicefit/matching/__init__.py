"""matching"""
