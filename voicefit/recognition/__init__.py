"""recognition"""
