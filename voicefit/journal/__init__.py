"""journal"""
